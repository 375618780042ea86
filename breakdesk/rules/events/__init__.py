"""What the events of a claim's history do to it, kind by kind."""
