-- want: unknown_name.lua:4: unknown name 'pritn', did you mean 'print'?
local a = 1

pritn(a)
