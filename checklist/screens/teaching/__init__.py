"""For the class: one calculation line by line, and what the numbers rest on."""
