-- want: bad_argument.lua:3: value 1 given to 'ipairs': a table is needed, not nil
-- hint: nil means a value that is missing; check that it was set before this line
for _, x in ipairs(nil) do print(x) end
