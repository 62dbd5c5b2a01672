"""The season book: its pages, drawn on a surface, as a PDF and as one web page; computes no statistic."""
