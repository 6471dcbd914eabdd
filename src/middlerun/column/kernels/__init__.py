"""Kernels: the compiled heart. Floats and arrays only; SI; no branch on what kind a thing is.

`layout` says where each number lies, `stage` holds the balances of one stage, `condenser` those of the exchangers,
`rates` the right-hand side, `blocks` its derivative by blocks and the linear solve, `method` the coefficients of the
integrator, `integrate` steps, ends and reports. Nothing here allocates while it steps.
"""
