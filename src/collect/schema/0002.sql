-- The second schema: indexes alone, so that long lists come in the order asked for without sorting
-- and what is missing is found without looking at every find.

DROP INDEX identification_period;
DROP INDEX identification_ruler;
DROP INDEX identification_denomination;
DROP INDEX identification_type;
CREATE INDEX identification_by_period ON identification (period, find) WHERE standing = 'current';
CREATE INDEX identification_by_ruler ON identification (ruler, find) WHERE standing = 'current';
CREATE INDEX identification_by_denomination ON identification (denomination, find)
    WHERE standing = 'current';
CREATE INDEX identification_by_class ON identification (class, find) WHERE standing = 'current';
CREATE INDEX identification_by_type ON identification (type_id, find) WHERE standing = 'current';
CREATE INDEX identification_confirmed ON identification (find)
    WHERE standing = 'current' AND confirmed_by IS NOT NULL;
CREATE INDEX photograph_find ON photograph (find);
CREATE INDEX find_changed ON find (changed DESC);
