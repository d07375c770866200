-- want: ends_early.lua:5: the file ends too early
-- hint: an 'end', '}', ')' or quotation mark is missing somewhere above
local function f()
  if true then
    print("x")

