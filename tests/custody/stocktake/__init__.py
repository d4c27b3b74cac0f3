"""Tests of stocktakes."""
