"""Two secrets of an exam: a start word that opens the questions, and a key pair that only the instructor opens."""
