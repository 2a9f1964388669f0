-- What was done at this hub, by whom and when. Rows are added and never changed.
-- They name benches and devices by id, so that what was forgotten leaves no name here.
CREATE TABLE audit (
    nr      BIGINT PRIMARY KEY,   -- without a gap: a row that somebody took out shows
    at_ms   BIGINT NOT NULL,
    what    TEXT NOT NULL,
    bench   TEXT NOT NULL,
    key_id  TEXT NOT NULL,
    actor   TEXT NOT NULL,
    detail  TEXT NOT NULL
);
CREATE TRIGGER audit_stands BEFORE UPDATE ON audit
BEGIN
    SELECT RAISE(ABORT, 'the audit log is only added to');
END;
CREATE TRIGGER audit_stays BEFORE DELETE ON audit
BEGIN
    SELECT RAISE(ABORT, 'the audit log is only added to');
END;

-- What the operator allows a bench; '' is every bench that has no row of its own.
CREATE TABLE bench_limits (
    bench  TEXT NOT NULL,
    name   TEXT NOT NULL,
    value  BIGINT NOT NULL,
    PRIMARY KEY (bench, name)
);

-- A key that is being replaced: good beside the old one until it is first shown.
ALTER TABLE keys ADD COLUMN next_sha TEXT;
-- When the secret of a key was last replaced, and since when the operator wants it replaced.
ALTER TABLE keys ADD COLUMN rotated_ms BIGINT;
ALTER TABLE keys ADD COLUMN rotation_asked_ms BIGINT;

-- When the next erasure of a bench is due, NULL for none; 0 has it looked up.
ALTER TABLE benches ADD COLUMN due_ms BIGINT DEFAULT 0;
