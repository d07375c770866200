upset "before" {
  unit = "x", lasts = "9",
}

local t = { a = 1 }
upset "after" { unit = t.b.c }
-- problems
-- 2: lasts: "9" has no unit; a length of time is needed here, for example "9 h"
-- 6: 'c' asked of 't.b', which is nil (nothing)
--   check that the value was set before this line and that its name is spelt right
