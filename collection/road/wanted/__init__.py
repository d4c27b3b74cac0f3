"""What is being looked for, and why."""
