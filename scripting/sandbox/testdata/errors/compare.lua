-- want: compare.lua:4: a nil cannot be compared with a number
-- hint: compare numbers with numbers; nil means a value that is missing
local t = {}
if t.free < 120 then print("full") end
