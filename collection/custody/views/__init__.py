"""Pages of custody."""
