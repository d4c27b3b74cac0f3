"""The site and who may enter it; knows nothing of gear."""
