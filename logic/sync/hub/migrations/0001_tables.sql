-- What a hub keeps. The same text serves SQLite and PostgreSQL.

CREATE TABLE benches (
    bench    TEXT PRIMARY KEY,
    name     TEXT NOT NULL UNIQUE,
    made_ms  BIGINT NOT NULL,
    head     BIGINT NOT NULL DEFAULT 0   -- the last hub_seq given out; its row is the bench's lock
);

-- Immutable. hub_seq is the order of arrival at this hub; devices never use it as a cursor.
CREATE TABLE events (
    bench          TEXT NOT NULL REFERENCES benches (bench),
    device         TEXT NOT NULL,
    seq            BIGINT NOT NULL,
    prev           TEXT NOT NULL,
    digest         TEXT NOT NULL,
    text           TEXT NOT NULL,
    hub_seq        BIGINT NOT NULL,
    received_ms    BIGINT NOT NULL,
    received_from  TEXT NOT NULL,
    PRIMARY KEY (bench, device, seq)
);

-- Which numbers of each device are in `events`, as runs.
CREATE TABLE runs (
    bench      TEXT NOT NULL REFERENCES benches (bench),
    device     TEXT NOT NULL,
    first_seq  BIGINT NOT NULL,
    last_seq   BIGINT NOT NULL,
    PRIMARY KEY (bench, device, first_seq)
);

-- Events whose number was taken by another one.
CREATE TABLE aside (
    bench          TEXT NOT NULL REFERENCES benches (bench),
    device         TEXT NOT NULL,
    seq            BIGINT NOT NULL,
    digest         TEXT NOT NULL,
    text           TEXT NOT NULL,
    received_ms    BIGINT NOT NULL,
    received_from  TEXT NOT NULL,
    PRIMARY KEY (bench, device, seq, digest)
);

-- Devices that may come in. Only digests of their secrets are here.
CREATE TABLE keys (
    key_id      TEXT PRIMARY KEY,
    bench       TEXT NOT NULL REFERENCES benches (bench),
    label       TEXT NOT NULL,
    role        TEXT NOT NULL,
    secret_sha  TEXT NOT NULL,
    made_ms     BIGINT NOT NULL,
    seen_ms     BIGINT,
    revoked_ms  BIGINT
);

-- Joining codes: each works once and not for long.
CREATE TABLE codes (
    code_sha    TEXT PRIMARY KEY,
    bench       TEXT NOT NULL REFERENCES benches (bench),
    role        TEXT NOT NULL,
    expires_ms  BIGINT NOT NULL,
    used_ms     BIGINT
);
