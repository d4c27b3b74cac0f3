"""The file of a theft: tasks, sheets and notices as paper, photos held side by side."""
