"""The packing and case list of a tour, and of one truck in the order it was loaded."""
