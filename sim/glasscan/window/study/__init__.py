"""Pages round the lessons: self-study, exam papers, class results."""
