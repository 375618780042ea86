"""The five rounds that a person walks: submit, ask, tell, ship and decide."""
