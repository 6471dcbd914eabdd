"""Plan: a still, a charge, a day and a procedure, put together and predicted.

Takes: plan files, descriptions from the rooms below. Gives: `Plan`, `Run`, warnings with their words, comparisons.
Never: measures, estimates, stores or draws anything.
"""
