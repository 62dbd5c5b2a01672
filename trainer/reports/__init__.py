"""Charts and printed pages: shows figures, computes no statistic; the one door to matplotlib and to fpdf2."""
