upset "nothing behind it"

upset "a text" "text"

upset "a function" (function () end)

upset "" { unit = "x" }

upset "positional" { "x", unit = "y" }

upset "positional" { unit = "z" }

upset { unit = "no name" }
-- problems
-- 1: upset "nothing behind it" has nothing after its name; write upset "nothing behind it" { ... }
-- 3: upset "a text": "text" is not a table; write upset "a text" { ... }
-- 5: upset "a function": a function is not a table; write upset "a function" { ... }
-- 7: this upset has an empty name; give it a name of its own
-- 9: "x" stands in upset "positional" without a key; write key = value
-- 11: upset "positional" is there twice, first on line 9; give each a name of its own
-- 13: upset needs a name before its value; write upset "name" { ... }
