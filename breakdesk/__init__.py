"""Breakdesk keeps the claim cards of a group break operator: from the pull on camera to the participant's hands."""

__version__ = "0.1.0"
