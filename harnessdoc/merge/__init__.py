"""The merge of two or more harnesses: from sources, fates, joins and interfaces to one description.

Takes: the documents of a merge file and, through it, those of its sources. Gives: plain
documents that build like any other, and what was decided (``plan.Merge``). After that nothing
in the program asks whether a harness was merged, but for the sheets and rules about the merge itself.
"""
