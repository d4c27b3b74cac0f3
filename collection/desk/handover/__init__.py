"""One document for a deputy or the next technician, and who took over when."""
