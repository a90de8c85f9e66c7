"""What can be typed: each command with its options and its help; what they do stands beside."""
