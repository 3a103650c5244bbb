"""The bundled font, its licence (OFL.txt) and its table of widths; made by make_font.py."""
