"""The class over the whole term: every issued assignment in one page and two sheets.

``gather`` (the results of all assignments), ``lookings`` (what they say: mistakes, progress, who needs help),
``shades`` (how much of the marks, as a shade), ``lessons`` (where to read again), ``pictures`` (clean SVG out of the
plotting library), ``heatmap`` and ``charts`` (the figures), ``term_page`` and ``term_sheets`` (what is written).
"""
