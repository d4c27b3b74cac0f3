"""The pack of a fly date: what travels, what stands in, what an airline takes."""
