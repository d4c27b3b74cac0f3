"""How long parts of a type lived, by maker, by lot or pooled, with the law they bear out."""
