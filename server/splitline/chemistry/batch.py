"""Many tests at once: the same equations as `budget`, evaluated on arrays for the server's batches.

Only the plain case goes by array (a known scale, water as the liquid, at most two runs or runs that agree within their
budget); everything else is handed to `budget.result`, so that both ways give the same numbers.
"""
