-- The third schema: one more index, so that what all finds are gone through for (those without a
-- photograph) is read from their keys alone and not from all that is kept of each.

CREATE INDEX find_by_key ON find (key);
