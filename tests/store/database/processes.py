"""Processes that are forked from one which has imported everything: each costs no start of its own."""

import multiprocessing

PROCESSES = multiprocessing.get_context("forkserver")
PROCESSES.set_forkserver_preload([f"tests.store.database.{name}" for name in ("doomed", "holding", "writing")])
