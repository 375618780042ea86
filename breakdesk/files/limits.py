"""How much of a file is read, so that a hostile one costs neither the memory nor the day."""

from __future__ import annotations

MOST_FILE_BYTES = 64 * 1024 * 1024
MOST_COLUMNS = 200
MOST_ROWS = 1_000_000
# A workbook is a zip archive: its parts are counted before any is unpacked.
MOST_UNPACKED_BYTES = 256 * 1024 * 1024
MOST_SHARED_TEXT_BYTES = 64 * 1024 * 1024
MOST_PARTS = 5_000
MOST_TIMES_UNPACKED = 200
SMALL_UNPACKED_BYTES = 4 * 1024 * 1024
MOST_ROW_BYTES = 2 * 1024 * 1024
