"""The screen: a Textual program that calls the desk and nothing below it."""
