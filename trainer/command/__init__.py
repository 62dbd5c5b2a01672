"""The command line: reads options, says what came of them; what a command does is done in the rooms below."""
