"""Labels with QR codes: for pieces, as swing tags, for cases."""
