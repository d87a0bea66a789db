"""Pictures as SVG text: pure Python, no Django, no style attributes, right in light, dark and on paper."""
