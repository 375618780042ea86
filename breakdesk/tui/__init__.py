"""The screen: a Textual program that calls the desk and nothing below it."""

from os import environ

# Read by Textual when it is first imported. The letter is painted at once and its reading with the next picture, which
# at Textual's own 60 pictures a second would come up to 33 ms after the key; a person who types fast notices that.
environ.setdefault("TEXTUAL_FPS", "240")
