//! Tag trees (ISO/IEC 15444-1, B.10.2): numbers of the code blocks of a precinct, told by what neighbours have in common.

/// The tree over a row of leaves; each node knows what is told of its value so far.
#[derive(Debug, Clone)]
pub(super) struct TagTree {
    /// The first node of each layer, the leaves first.
    layers: Vec<usize>,
    nodes: Vec<Node>,
}

#[derive(Debug, Clone, Copy)]
struct Node {
    value: u32,
    low: u32,
}

impl TagTree {
    /// Nothing told yet.
    pub fn new(leaves: usize) -> Self {
        let (mut layers, mut nodes, mut width) = (Vec::new(), 0, leaves.max(1));
        loop {
            layers.push(nodes);
            nodes += width;
            if width == 1 {
                break;
            }
            width = width.div_ceil(2);
        }
        Self { layers, nodes: vec![Node { value: u32::MAX, low: 0 }; nodes] }
    }

    /// Whether a leaf's value is below a threshold, with the bits that tell it; none where there are no more.
    pub fn is_below(
        &mut self,
        leaf: usize,
        threshold: u32,
        mut bit: impl FnMut() -> Option<bool>,
    ) -> Option<bool> {
        let mut low = 0;
        let mut value = u32::MAX;
        for (layer, first) in self.layers.iter().enumerate().rev() {
            let node = &mut self.nodes[first + (leaf >> layer)];
            node.low = node.low.max(low);
            while node.low < threshold && node.low < node.value {
                if bit()? {
                    node.value = node.low;
                } else {
                    node.low += 1;
                }
            }
            (low, value) = (node.low, node.value);
        }
        Some(value < threshold)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of B.10.2, its first row alone (6 x 3 leaves there, so the tree here is another): by hand. Leaves 1, 3, 2; the
    /// nodes above 1 and 2, the root 1. Leaf 0: root 0 1, node 1, leaf 1. Leaf 1: leaf 0 0 1. Leaf 2: node 0 1, leaf 1.
    #[test]
    fn values_come_out_as_the_bits_tell() {
        let mut tree = TagTree::new(3);
        let mut bits = [0, 1, 1, 1, 0, 0, 1, 0, 1, 1].into_iter();
        let mut value = |leaf: usize| {
            let mut bit = || bits.next().map(|bit| bit == 1);
            (1..9).find(|threshold| tree.is_below(leaf, *threshold, &mut bit).unwrap()).unwrap() - 1
        };
        assert_eq!([value(0), value(1), value(2)], [1, 3, 2]);
        assert_eq!(TagTree::new(1).is_below(0, 1, || None), None);
    }
}
