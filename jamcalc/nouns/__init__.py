"""The nouns: what is known and asked (model), what is answered (outcome), what stands on a label. Frozen, with their units in the names."""
