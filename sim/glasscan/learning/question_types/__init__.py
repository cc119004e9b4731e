"""The kinds of answer beyond a choice, a number and a valve strip: one file each."""
