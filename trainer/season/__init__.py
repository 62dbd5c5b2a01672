"""The season: who is on the roster, what is aimed at week by week, and quizzes; from answers to what staff read."""
