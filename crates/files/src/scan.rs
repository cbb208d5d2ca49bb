//! A forgiving scan over RON text: it knows brackets, strings, comments and
//! `name:`, nothing else. It never recurses; depth costs one stack entry.

/// Step from an enclosing value to one inside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Step {
    /// `name: value`, or a map's key.
    Field(String),
    /// Item of a list.
    Item(usize),
    /// Member of a group without names.
    Member(usize),
    /// Content of `Name(value)`, which adds nothing to the path.
    Inside,
}

#[derive(Debug)]
pub(crate) struct Node {
    pub parent: usize,
    pub step: Step,
    /// Byte where the name, or without a name the value, begins.
    pub from: usize,
    /// Byte where the value begins.
    pub value: usize,
    /// Byte after the value.
    pub to: usize,
}

/// Nodes deeper than this are not told apart: no file kind nests so deeply.
const DEEPEST: usize = 64;

struct Frame {
    node: usize,
    list: bool,
    named: bool,
    next: usize,
    /// Node of the item being read.
    item: Option<usize>,
    after_name: bool,
}

/// Values of a text in the order in which they begin; the first is the whole.
pub(crate) fn scan(text: &str) -> Vec<Node> {
    let mut scanner = Scanner {
        text,
        at: 0,
        nodes: vec![Node {
            parent: 0,
            step: Step::Inside,
            from: 0,
            value: 0,
            to: text.len(),
        }],
        frames: Vec::new(),
        skipped_depth: 0,
        name_before: false,
    };
    scanner.run();
    scanner.nodes
}

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    nodes: Vec<Node>,
    frames: Vec<Frame>,
    /// Brackets opened below the deepest level that is told apart.
    skipped_depth: usize,
    /// The last token was a name, so a bracket that follows is `Name(`.
    name_before: bool,
}

impl Scanner<'_> {
    fn run(&mut self) {
        self.skip_attribute();
        while let Some(byte) = self.peek_token() {
            match byte {
                b'(' | b'[' | b'{' => self.open(byte),
                b')' | b']' | b'}' => self.close(),
                b',' => {
                    if self.skipped_depth == 0 {
                        self.end_item();
                    }
                    self.at += 1;
                    self.name_before = false;
                }
                b':' => {
                    self.at += 1;
                }
                _ => self.word(),
            }
        }
    }

    fn bytes(&self) -> &[u8] {
        self.text.as_bytes()
    }

    /// Skips blanks and comments; the next byte, if any.
    fn peek_token(&mut self) -> Option<u8> {
        loop {
            let rest = &self.bytes()[self.at..];
            match rest {
                [] => return None,
                [b, ..] if b.is_ascii_whitespace() => self.at += 1,
                [b'/', b'/', ..] => {
                    let len = rest.iter().position(|&b| b == b'\n');
                    self.at += len.unwrap_or(rest.len());
                }
                [b'/', b'*', ..] => self.block_comment(),
                [b, ..] => return Some(*b),
            }
        }
    }

    fn block_comment(&mut self) {
        let mut depth = 0_usize;
        while self.at < self.text.len() {
            let rest = &self.bytes()[self.at..];
            if rest.starts_with(b"/*") {
                depth += 1;
                self.at += 2;
            } else if rest.starts_with(b"*/") {
                depth -= 1;
                self.at += 2;
                if depth == 0 {
                    return;
                }
            } else {
                self.at += 1;
            }
        }
    }

    fn skip_attribute(&mut self) {
        while self.peek_token() == Some(b'#') {
            let rest = &self.bytes()[self.at..];
            let len = rest.iter().position(|&b| b == b']');
            self.at += len.map_or(rest.len(), |i| i + 1);
        }
    }

    fn open(&mut self, bracket: u8) {
        if self.frames.len() >= DEEPEST {
            self.skipped_depth += 1;
            self.at += 1;
            return;
        }
        let node = if self.frames.is_empty() {
            self.nodes[0].value = self.at;
            Some(0)
        } else {
            self.begin_value(self.at)
        };
        self.frames.push(Frame {
            node: node.unwrap_or(0),
            list: bracket == b'[',
            named: self.name_before,
            next: 0,
            item: None,
            after_name: false,
        });
        self.name_before = false;
        self.at += 1;
    }

    fn close(&mut self) {
        self.name_before = false;
        if self.skipped_depth > 0 {
            self.skipped_depth -= 1;
            self.at += 1;
            return;
        }
        self.end_item();
        self.at += 1;
        if let Some(frame) = self.frames.pop() {
            self.nodes[frame.node].to = self.at;
        }
    }

    /// The node of the value that starts here, made when it has no name.
    fn begin_value(&mut self, at: usize) -> Option<usize> {
        let count = self.nodes.len();
        let frame = self.frames.last_mut()?;
        if let Some(item) = frame.item {
            if frame.after_name {
                frame.after_name = false;
                self.nodes[item].value = at;
            }
            return Some(item);
        }
        let step = if frame.list {
            Step::Item(frame.next)
        } else if frame.named && frame.next == 0 {
            Step::Inside
        } else {
            Step::Member(frame.next)
        };
        frame.item = Some(count);
        let parent = frame.node;
        self.nodes.push(Node {
            parent,
            step,
            from: at,
            value: at,
            to: self.text.len(),
        });
        Some(count)
    }

    fn end_item(&mut self) {
        let at = self.at;
        if let Some(frame) = self.frames.last_mut()
            && let Some(item) = frame.item.take()
        {
            frame.next += 1;
            frame.after_name = false;
            self.nodes[item].to = at;
        }
    }

    /// A name, number, string or any other run of bytes.
    fn word(&mut self) {
        let start = self.at;
        let is_string = self.string();
        if !is_string {
            let rest = &self.bytes()[start..];
            let len = rest
                .iter()
                .position(|&b| b.is_ascii_whitespace() || b"()[]{},:\"/".contains(&b))
                .unwrap_or(rest.len());
            self.at += len.max(1);
        }
        let end = self.at;
        let is_name =
            !is_string && matches!(self.bytes()[start], b'a'..=b'z' | b'A'..=b'Z' | b'_' | 0x80..);
        if self.skipped_depth > 0 || self.frames.is_empty() {
            self.name_before = is_name;
            return;
        }
        let fresh = self.frames.last().is_some_and(|f| f.item.is_none());
        let names_value =
            fresh && self.frames.last().is_some_and(|f| !f.list) && self.peek_token() == Some(b':');
        if names_value {
            let word = self.text.get(start..end).unwrap_or("").trim_matches('"');
            let name = word.strip_prefix("r#").unwrap_or(word).to_owned();
            let node = self.nodes.len();
            if let Some(frame) = self.frames.last_mut() {
                frame.item = Some(node);
                frame.after_name = true;
                let parent = frame.node;
                self.nodes.push(Node {
                    parent,
                    step: Step::Field(name),
                    from: start,
                    value: start,
                    to: self.text.len(),
                });
            }
            self.name_before = false;
        } else {
            self.begin_value(start);
            self.name_before = is_name;
        }
    }

    /// Passes over a string or character literal, if one starts here.
    fn string(&mut self) -> bool {
        let rest = &self.bytes()[self.at..];
        let prefix = rest.iter().take_while(|&&b| b == b'b' || b == b'r').count();
        let hashes = rest[prefix..].iter().take_while(|&&b| b == b'#').count();
        let raw = rest[..prefix].contains(&b'r');
        if prefix > 2 || rest.get(prefix + hashes) != Some(&b'"') || (hashes > 0 && !raw) {
            return false;
        }
        let mut i = prefix + hashes + 1;
        while let Some(&byte) = rest.get(i) {
            match byte {
                b'\\' if !raw => i += 1,
                b'"' if rest[i + 1..]
                    .iter()
                    .take(hashes)
                    .filter(|&&b| b == b'#')
                    .count()
                    == hashes =>
                {
                    i += hashes;
                    break;
                }
                _ => {}
            }
            i += 1;
        }
        self.at = (self.at + i + 1).min(self.text.len());
        true
    }
}
