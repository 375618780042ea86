"""Two or three people at one desk on a server, each in a process of their own: exactly one does it, nothing is lost."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from engines import NO_SERVER, put_on_server, server_address

from breakdesk.desk.checking import verify
from breakdesk.desk.desk import open_desk
from breakdesk.store import models
from breakdesk.store.engine import run
from tests.desk.conftest import World

SEAT = Path(__file__).with_name("seat.py")
