"""Songs, set lists, and which instrument belongs to which song."""
