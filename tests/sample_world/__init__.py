"""The invented world of the sample desk, in plain data. Nothing here matches a real maker, league, team or person."""
