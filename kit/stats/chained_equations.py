"""Missing numbers filled in from the numbers that are there, and estimates from several completed tables put together."""

from __future__ import annotations
