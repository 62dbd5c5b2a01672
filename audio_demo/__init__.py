"""The demo: a show to listen to room by room, and a season of made-up learners to look at."""
