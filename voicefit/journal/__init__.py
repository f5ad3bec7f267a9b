"""The record that is never lost: record to line and back, stores, kept sound, the shop's stock on disk (edge).

    store = open_store("journal.sqlite")
    log = SessionLog.begin(store, Versions(voicefit=..., catalogue=digest, grammar=digest))
    log.append("reading", {...})    # returns when it is durable; only then may it be confirmed aloud

How it works. A record is one line of canonical JSON behind its checksum, with its number in the session and a hash over
the record before it (``record``), so that a changed byte, a missing record and a copy that went its own way are noticed
(``forks``). A store takes lines and returns when they are durable: a text file, SQLite or PostgreSQL (``line_file``,
``sql``); a shared one is fed behind a local one, and nobody waits for it (``mirror``). Of a damaged file all lines are
found that are still whole (``carve``, ``sqlite_file``). Jobs are folded from the records by the session's own function
(``history``, ``replay``).

Duty: keep what it is given, for the user alone. It must not decide what is recorded. Nothing is imported here: a
database library is loaded only when a database is opened.
"""
