"""One run of a rule file, pure: answers in, state and verdict out; no screens, files or clock."""
