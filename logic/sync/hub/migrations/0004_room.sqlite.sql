-- How many bytes of text a bench's events take up.
ALTER TABLE benches ADD COLUMN bytes BIGINT NOT NULL DEFAULT 0;
UPDATE benches SET bytes = COALESCE(
    (SELECT SUM(LENGTH(CAST(text AS BLOB))) FROM events WHERE events.bench = benches.bench), 0
);
