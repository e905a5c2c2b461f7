"""Formulas that know no batch: charge balance and pH, set, sweetness and water activity, and the roots they need (scipy)."""
