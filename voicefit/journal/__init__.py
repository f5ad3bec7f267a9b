"""The record that is never lost: record to line and back, stores, kept sound, the shop's stock on disk (edge).

    store = open_store("journal.sqlite")
    log = SessionLog.begin(store, version=..., catalogue=digest, grammar=digest)
    log.append("reading", {...})    # returns when it is durable; only then may it be confirmed aloud

Duty: keep what it is given, for the user alone. It must not decide what is recorded. Nothing is imported here: a
database library is loaded only by who opens a database.
"""
