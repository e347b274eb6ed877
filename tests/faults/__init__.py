"""What kills, floods and a faulty platform do to the real process.

Everything here runs `python -m bot serve` as its own process against the local Bot API server as
another, on loopback, and counts afterwards from the server's transcript and from the database.
`processes.py` starts and ends them, `scene.py` fills the database and talks, `tally.py` counts,
`killing.py` kills. The sizes of a full run are those of the tests marked `bench`.
"""
