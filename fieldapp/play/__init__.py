"""Play: the line of play and what is measured along it."""
