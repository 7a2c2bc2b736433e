"""One design, and many: from their files to jobs, from jobs to bytes that have been judged."""
