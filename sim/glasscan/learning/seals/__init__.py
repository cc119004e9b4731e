"""Two secrets of an exam: a start word for the questions, and a key pair that only the instructor opens."""
