-- Names are ours and no reserved word of H2 or PostgreSQL. An empty text means that it is not known.
CREATE TABLE registry_case (
    case_name VARCHAR NOT NULL PRIMARY KEY CHECK (case_name <> ''),
    site VARCHAR NOT NULL,
    age_band VARCHAR NOT NULL,
    menopausal_status VARCHAR NOT NULL
);

CREATE TABLE registry_lesion (
    case_name VARCHAR NOT NULL REFERENCES registry_case (case_name),
    lesion VARCHAR NOT NULL CHECK (lesion <> ''),
    PRIMARY KEY (case_name, lesion)
);

-- What a column of the wide table means. Two versions of a dictionary that differ give two rows of one column's name.
CREATE TABLE registry_definition (
    definition_id VARCHAR NOT NULL PRIMARY KEY,
    column_name VARCHAR NOT NULL,
    region VARCHAR NOT NULL,
    series VARCHAR NOT NULL,
    feature_group VARCHAR NOT NULL,
    feature VARCHAR NOT NULL,
    code VARCHAR NOT NULL,
    aggregation VARCHAR NOT NULL,
    aggregation_code VARCHAR NOT NULL,
    unit VARCHAR NOT NULL,
    meaning VARCHAR NOT NULL,
    source VARCHAR NOT NULL
);

-- One measurement of one lesion as one reader drew it, with where it comes from.
CREATE TABLE registry_set (
    set_id VARCHAR NOT NULL PRIMARY KEY,
    case_name VARCHAR NOT NULL,
    lesion VARCHAR NOT NULL,
    reader VARCHAR NOT NULL,
    software VARCHAR NOT NULL CHECK (software <> ''),
    settings VARCHAR NOT NULL,
    settings_id VARCHAR NOT NULL,
    dictionary_version VARCHAR NOT NULL,
    content_id VARCHAR NOT NULL,
    UNIQUE (case_name, lesion, reader, software, settings_id),
    FOREIGN KEY (case_name, lesion) REFERENCES registry_lesion (case_name, lesion)
);

CREATE TABLE registry_measurement (
    set_id VARCHAR NOT NULL REFERENCES registry_set (set_id),
    definition_id VARCHAR NOT NULL REFERENCES registry_definition (definition_id),
    place INTEGER NOT NULL,
    measured DOUBLE PRECISION,
    low DOUBLE PRECISION,
    high DOUBLE PRECISION,
    status VARCHAR NOT NULL CHECK (status IN ('ok', 'caution', 'not measured')),
    note VARCHAR NOT NULL,
    PRIMARY KEY (set_id, definition_id),
    CHECK ((status = 'not measured') = (measured IS NULL)),
    CHECK ((low IS NULL) = (high IS NULL)),
    CHECK (low <= high)
);

CREATE TABLE registry_impression (
    case_name VARCHAR NOT NULL,
    lesion VARCHAR NOT NULL,
    reader VARCHAR NOT NULL,
    place INTEGER NOT NULL CHECK (place > 0),
    locked VARCHAR NOT NULL,
    border VARCHAR NOT NULL,
    t2_signal VARCHAR NOT NULL,
    t2_homogeneity VARCHAR NOT NULL,
    t1_bright_signal VARCHAR NOT NULL,
    enhancement VARCHAR NOT NULL,
    non_enhancing_areas VARCHAR NOT NULL,
    diffusion VARCHAR NOT NULL,
    concern INTEGER CHECK (concern BETWEEN 1 AND 5),
    remark VARCHAR NOT NULL,
    PRIMARY KEY (case_name, lesion, reader, place),
    FOREIGN KEY (case_name, lesion) REFERENCES registry_lesion (case_name, lesion)
);

CREATE TABLE registry_outcome (
    case_name VARCHAR NOT NULL,
    lesion VARCHAR NOT NULL,
    outcome VARCHAR NOT NULL,
    histology VARCHAR NOT NULL,
    treatment VARCHAR NOT NULL,
    PRIMARY KEY (case_name, lesion),
    FOREIGN KEY (case_name, lesion) REFERENCES registry_lesion (case_name, lesion)
);

-- What names and dates of exports are derived from; it never leaves the registry.
CREATE TABLE registry_secret (
    one INTEGER NOT NULL PRIMARY KEY CHECK (one = 1),
    secret VARCHAR NOT NULL
);
