-- How the file was made: optional, since format 1.3. FORMAT.md describes it.
CREATE TABLE history (
    step               INTEGER NOT NULL PRIMARY KEY
        CONSTRAINT history_step_positive CHECK (step > 0),
    action             TEXT NOT NULL,
    program            TEXT NOT NULL,
    title              TEXT NOT NULL,
    inputs             TEXT NOT NULL,
    note               TEXT NOT NULL,
    content_sha256     TEXT NOT NULL,
    input_files_sha256 TEXT NOT NULL,
    recipe_sha256      TEXT NOT NULL,
    recipe             TEXT NOT NULL
) STRICT;
