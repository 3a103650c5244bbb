"""The drawing kit: a pen that records marks in mm, page, tables, symbols, and SVG, PNG and PDF of the record."""
