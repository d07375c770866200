-- want: arithmetic.lua:4: '+' needs two numbers, not string and number
-- hint: nil means a value that is missing; a text such as "3 h" is not a number
local wait = "3 h"
local longer = wait + 1
