-- Attaches Neovim's own language client to the server and writes down what it got, as JSON.
-- Environment: FERRULE_SERVER (the bundled server), FERRULE_SITE (a folder), FERRULE_RESULT (a file),
-- FERRULE_NODE (the Node program).
local site = os.getenv('FERRULE_SITE')
local result = {}
local patience = 20000

local function finish()
  local file = io.open(os.getenv('FERRULE_RESULT'), 'w')
  file:write(vim.json.encode(result))
  file:close()
  vim.cmd('qall!')
end

local function open(name)
  vim.cmd('edit ' .. vim.fn.fnameescape(site .. '/' .. name))
  vim.bo.filetype = 'ferrule'
  return vim.api.nvim_get_current_buf()
end

local function lines(buffer)
  return table.concat(vim.api.nvim_buf_get_lines(buffer, 0, -1, false), '\n') .. '\n'
end

--- Puts the cursor on the first place of a text (a plain text, not a pattern).
local function go(buffer, needle)
  for number, line in ipairs(vim.api.nvim_buf_get_lines(buffer, 0, -1, false)) do
    local column = line:find(needle, 1, true)
    if column then
      vim.api.nvim_win_set_cursor(0, { number, column - 1 })
      return
    end
  end
  error('"' .. needle .. '" does not stand in the buffer')
end

local function run()
  vim.o.hidden = true
  vim.o.swapfile = false
  local id = vim.lsp.start_client({
    name = 'ferrule',
    cmd = { os.getenv('FERRULE_NODE'), os.getenv('FERRULE_SERVER'), '--stdio' },
    root_dir = site,
    workspace_folders = { { uri = vim.uri_from_fname(site), name = 'site' } },
  })
  local units = open('units.ferrule')
  vim.lsp.buf_attach_client(units, id)
  local mill = open('mill.ferrule')
  vim.lsp.buf_attach_client(mill, id)
  local client = vim.lsp.get_client_by_id(id)
  assert(vim.wait(patience, function() return client.initialized end), 'the server did not start')
  result.server = client.server_capabilities ~= nil

  -- Diagnostics of a mistake in the text, then of the mended text.
  assert(vim.wait(patience, function() return #vim.diagnostic.get(mill) > 0 end), 'no diagnostics')
  result.diagnostics = vim.tbl_map(function(one)
    return { line = one.lnum + 1, code = one.code, message = one.message }
  end, vim.diagnostic.get(mill))
  go(mill, 'FU-8.link')
  vim.cmd('substitute/FU-8/FU-2/')
  assert(vim.wait(patience, function() return #vim.diagnostic.get(mill) == 0 end), 'still wrong')
  result.mended = true

  -- Completion of a free address.
  go(mill, 'address 3')
  vim.cmd('substitute/address 3/address /')
  go(mill, 'address  ')
  local position = vim.api.nvim_win_get_cursor(0)
  vim.api.nvim_win_set_cursor(0, { position[1], position[2] + #'address ' })
  local params = vim.lsp.util.make_position_params(0, client.offset_encoding)
  local answer = client.request_sync('textDocument/completion', params, patience, mill)
  local items = vim.lsp.util.extract_completion_items(answer.result)
  result.completion = vim.tbl_map(function(item) return item.label end, items)
  vim.cmd('substitute/address  /address 3 /')

  -- Renaming a port changes both files.
  go(mill, 'link 14 m')
  vim.lsp.buf.rename('line')
  assert(
    vim.wait(patience, function() return lines(units):find('port line', 1, true) ~= nil end),
    'nothing was renamed'
  )
  result.renamed = { mill = lines(mill), units = lines(units) }
end

local ok, problem = pcall(run)
if not ok then
  result.problem = tostring(problem)
end
finish()
