"""Developer strength and its limits, uptake into a fibre, depletion and decay, kinds of tone.

Pure functions on arrays that broadcast; nothing here knows about colour.
"""
