"""The domain: what a technician knows, finds, keeps playing, backs up and proves."""
