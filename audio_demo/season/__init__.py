"""A season that never was: six made-up learners answer reps for some weeks, for charts to show."""
