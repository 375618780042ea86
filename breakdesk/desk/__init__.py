"""What a person does at the desk: one function an action, one transaction each."""
