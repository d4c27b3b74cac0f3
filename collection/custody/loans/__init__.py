"""Loans and hires: handed out and taken in for a fixed time, and counted back."""
