"""How sound reaches the ear: a player for the sound device, one for files, one for silence."""
