"""Letters that leave the register: kept in a table first, sent by `manage.py daily`."""
