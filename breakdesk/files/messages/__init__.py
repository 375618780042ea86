"""The wording of messages: from a frozen view, through a template, to plain text fit for a channel."""
