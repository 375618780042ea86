"""What comes in and goes out: tables, messages, slips and calendars."""
