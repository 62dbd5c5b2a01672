"""Printed pages: drawn on a surface, which is PDF or SVG; in points from the top left corner of an A4 page."""
