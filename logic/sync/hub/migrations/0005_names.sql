-- Which key writes under which device name, so that no device of a bench can write as another.
CREATE TABLE names (
    bench      TEXT NOT NULL REFERENCES benches (bench),
    device     TEXT NOT NULL,
    key_id     TEXT NOT NULL,               -- whose own name it is or was, '' for nobody's
    bound      INTEGER NOT NULL DEFAULT 0,  -- 1 while that key writes under it
    declared   INTEGER NOT NULL DEFAULT 0,  -- 1 if the device said so, 0 if the hub concluded it
    came_from  TEXT NOT NULL,               -- the key that brought the name
    via        TEXT NOT NULL DEFAULT '',    -- the key that last brought entries not its own
    PRIMARY KEY (bench, device)
);
INSERT INTO names (bench, device, key_id, came_from)
    SELECT r.bench, r.device, '', e.received_from
    FROM (SELECT bench, device, MIN(first_seq) AS seq FROM runs GROUP BY bench, device) r
    JOIN events e ON e.bench = r.bench AND e.device = r.device AND e.seq = r.seq;

-- What each key brought since this step, in entries and in bytes of text.
ALTER TABLE keys ADD COLUMN entries BIGINT NOT NULL DEFAULT 0;
ALTER TABLE keys ADD COLUMN bytes BIGINT NOT NULL DEFAULT 0;
