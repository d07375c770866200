-- want: error_table.lua:3: error { code = 3, text = "no slabs" }
local function check()
  error({ code = 3, text = "no slabs" })
end
check()
