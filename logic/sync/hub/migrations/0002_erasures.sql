-- Events that promise to erase others, or take such a promise back.
CREATE TABLE erasures (
    bench   TEXT NOT NULL REFERENCES benches (bench),
    device  TEXT NOT NULL,
    seq     BIGINT NOT NULL,
    PRIMARY KEY (bench, device, seq)
);

-- 1 once the content of an event is gone.
ALTER TABLE events ADD COLUMN husk INTEGER NOT NULL DEFAULT 0;
