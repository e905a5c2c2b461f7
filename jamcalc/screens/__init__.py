"""What a person sees at a terminal (rich), and the record that a script reads (JSON)."""
