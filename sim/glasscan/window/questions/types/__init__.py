"""How each type of question is answered in the window, one file each."""
