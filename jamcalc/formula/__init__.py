"""From a batch to its doses: what goes together, how sour it is, how it may be kept, rounding, and the solver that conducts."""
