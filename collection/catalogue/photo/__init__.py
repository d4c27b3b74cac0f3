"""Photos as evidence: judged by content, kept untouched, shown as pictures made anew."""
